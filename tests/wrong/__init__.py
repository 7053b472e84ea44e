"""Wrong constants: a copy of the product in which one number is wrong, to see whether the tests notice."""
