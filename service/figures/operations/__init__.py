"""What is asked of the figures, and how the operator records and withdraws them."""

from service.figures.operations.book import BookLine as BookLine
from service.figures.operations.book import NotKnown as NotKnown
from service.figures.operations.book import list_lines as list_lines
from service.figures.operations.book import list_not_known as list_not_known
from service.figures.operations.book import load_book as load_book
from service.figures.operations.recording import Imported as Imported
from service.figures.operations.recording import import_figures as import_figures
from service.figures.operations.recording import list_withdrawn as list_withdrawn
from service.figures.operations.recording import record_figure as record_figure
from service.figures.operations.recording import withdraw_figure as withdraw_figure
