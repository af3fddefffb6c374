"""What every feature stands on and no feature owns: database and tenancy, outbox, mail, HTTP edge, settings, logging.

Nothing here knows a feature.  ``http`` keeps apart from ``db``, ``outbox`` and ``mail.queue``, so that an
operation or a job never imports Flask by way of its neighbours.
"""
