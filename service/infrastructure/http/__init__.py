"""The HTTP edge that all features share: problems, access, security headers, ETags, paging, fields, pages.

A feature's ``api`` builds on ``bodies.ApiBlueprint`` and declares on every operation who may call it.
"""
