"""Reporting: what an administrator sees of the whole scheme, read-only.

Words: standing, totals.  Announces nothing; hears nothing.
"""
