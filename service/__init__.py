"""Plugward: home charging for an employer's scheme, one folder a feature.

Dependencies point downwards only, from the composition roots (app, worker, cli) to
``common``; DEVELOPERS.md shows the tree and follows one request and one event through it.
"""
