"""Lessons: texts, folders, and the coach put to the test."""
