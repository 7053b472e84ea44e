"""The notebook: every sheet of the evening as a page."""
