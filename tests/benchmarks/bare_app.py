"""The reference of ``requests_a_second``: the least a Flask app can answer in JSON."""

from flask import Flask, jsonify

app = Flask(__name__)


@app.get("/")
def hello():  # type: ignore[no-untyped-def]
    """Return one short JSON object."""
    return jsonify(message="hello")
