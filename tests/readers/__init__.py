"""A printer who has nothing but the words a lesson shows, and what drives the lesson for him. Not part of the suite."""
