"""Steading: a course of small household steps, unlocked by what has held."""
