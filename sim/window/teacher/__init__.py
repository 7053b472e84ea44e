"""The teacher beside you: a lesson's lines beside the things they mean, answers by touch, marks on the print, drills."""
