"""Figures with a date: rates, typical use, factors of emission, prices of work, each with its source.

A figure holds from a day on until the next of its name.  What is not known for a day is asked for, never guessed.
"""
