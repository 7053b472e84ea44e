"""Lessons under way, coach, drills and progress: the teacher beside the bench."""
