"""Statements and claims as files: the same document gives the same bytes."""

from service.reimbursement.documents.claim_pdf import claim_pdf as claim_pdf
from service.reimbursement.documents.statement_csv import statement_csv as statement_csv
from service.reimbursement.documents.statement_xlsx import statement_xlsx as statement_xlsx
