"""Accounts: schemes, the people who sign in, their sessions and roles, and the audit trail.

Words: scheme, account, membership, role, session.  Announces nothing; hears nothing.
"""
