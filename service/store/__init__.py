"""The store: the only room of the service that speaks SQL (with its migrations)."""

from service.store import file_tables as _file_tables  # noqa: F401  # so that the metadata knows them
from service.store import job_tables as _job_tables  # noqa: F401  # the same
from service.store import mend_tables as _mend_tables  # noqa: F401  # the same
from service.store.database import FolderLock, default_folder
from service.store.kept import Store, Versioned, week_of
from service.store.moments import now

__all__ = ["FolderLock", "Store", "Versioned", "default_folder", "now", "week_of"]
