"""Values to bytes: the safety file as a PDF, the safety desk as CSV and XLSX."""

from service.reporting.documents.desk_csv import desk_csv as desk_csv
from service.reporting.documents.desk_xlsx import desk_xlsx as desk_xlsx
from service.reporting.documents.safety_pdf import safety_pdf as safety_pdf
