"""The database: types, the declarative base, and the three kinds of session.

A scheme session sees one scheme and is guarded; a system session serves queues and the
clock and reads ids only; the fleet writer runs bulk statements for one scheme a call.
"""
