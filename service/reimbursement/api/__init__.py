"""The reimbursement feature over HTTP."""

from service.reimbursement.api import claims as claims
from service.reimbursement.api import holdings as holdings
from service.reimbursement.api import review as review
from service.reimbursement.api import statements as statements
from service.reimbursement.api import trips as trips
from service.reimbursement.api.routes import blueprint as blueprint

__all__ = ["blueprint"]
