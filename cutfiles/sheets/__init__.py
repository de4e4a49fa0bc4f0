"""Patterns placed on film, with registration marks: what a file holds."""
