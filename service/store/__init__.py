"""The store: the only room of the service that speaks SQL (with its migrations)."""

from service.store.database import FolderLock, default_folder
from service.store.kept import Store, Versioned, now, week_of

__all__ = ["FolderLock", "Store", "Versioned", "default_folder", "now", "week_of"]
