"""Prints against brute-force integration, and proof that it notices a wrong constant."""
