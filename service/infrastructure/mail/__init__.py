"""E-mail: ``queue`` keeps what is to be sent, ``message`` builds it, ``smtp`` hands it over.

``sink`` is the demo's own receiving end, ``sink_page`` shows what it received.
"""
