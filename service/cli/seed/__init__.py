"""The demo scheme: read the readable files in seed/, turn them into rows, store what is missing.

Order: every file is read and checked before anything is written; then the scheme and its people,
the tariffs, the homes, each in a transaction of its own. What is stored already is left as it is.
"""

from service.cli.seed.files import SeedError
from service.cli.seed.loader import DemoSignIns, LoadedDemo, load_demo, sign_ins

__all__ = ["DemoSignIns", "LoadedDemo", "SeedError", "load_demo", "sign_ins"]
