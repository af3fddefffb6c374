"""What the worker runs for accounts: forget sessions and failed attempts that no longer mean anything."""

from datetime import timedelta

from sqlalchemy import delete

from service.accounts.domain import ATTEMPT_WINDOW
from service.accounts.models import SignInAttempt, SignInSession
from service.infrastructure.tasks import JobContext


def clear_ended_sessions(context: JobContext) -> int:
    """Delete sessions past their absolute end, and attempts whose window is over."""
    now = context.clock.now()
    with context.database.system(write=True) as session:
        ended = now - timedelta(seconds=context.settings.session_absolute_s)
        session.execute(delete(SignInSession).where(SignInSession.created_at < ended))
        session.execute(delete(SignInAttempt).where(SignInAttempt.window_starts_at < now - ATTEMPT_WINDOW))
    return 0
