"""The version of the program, written beside what it generates."""

VERSION = "0.1.0"
