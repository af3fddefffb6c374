"""The book of figures over HTTP: read by whoever the figures are used for, written by the operator alone."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask.views import MethodView

from service.figures import operations
from service.figures.api.routes import blueprint
from service.figures.domain.book import Figure
from service.figures.domain.kinds import KINDS, SUBJECTS
from service.figures.schemas import FigureListSchema, FigureQuery
from service.infrastructure.http.access import requires
from service.infrastructure.http.transactions import now, scheme_session


@blueprint.route("/figures")
class FiguresView(MethodView):
    """The book of dated figures."""

    @requires("administrator", "finance", "member")
    @blueprint.arguments(FigureQuery, location="query")
    @blueprint.response(200, FigureListSchema)
    def get(self, query: dict[str, Any]) -> object:
        """List figures with source and standing, those of a day if asked, and what is not known on that day."""
        session, name = scheme_session(), query["name"]
        on = query["on"] or now().date()
        lines = operations.list_lines(session, name=name, on=query["on"])
        in_force = {_named(line.figure) for line in operations.list_lines(session, name=name, on=on)}
        return {
            "on": on,
            "subjects": list(SUBJECTS),
            "items": [_shown(line, is_in_force=_named(line.figure) in in_force) for line in lines],
            "not_known": [
                {
                    "name": each.name, "key": each.key, "subject": KINDS[each.name].subject, "label": each.label,
                    "since_on": each.since_on,
                }
                for each in operations.list_not_known(session, on=on, name=name)
            ],
        }


def _named(figure: Figure) -> tuple[str, str, date]:
    return figure.name, figure.key, figure.from_on


def _shown(line: operations.BookLine, *, is_in_force: bool) -> dict[str, Any]:
    figure, recorded = line.figure, line.recorded
    return {
        "name": figure.name,
        "key": figure.key,
        "subject": KINDS[figure.name].subject,
        "label": line.label,
        "from_on": figure.from_on,
        "until_on": figure.until_on,
        "is_in_force": is_in_force,
        "value": figure.value,
        "unit": figure.unit,
        "standing": figure.standing,
        "source": figure.source,
        "recorded_by": recorded.recorded_by if recorded else None,
        "recorded_at": recorded.recorded_at if recorded else None,
    }
