"""Marking: batches of handed-in evenings become marks, a gradebook, pages for learners and one for whoever teaches."""
