"""How a process that searches begins: what it may take of this machine, and that it ends with the server.

So the page stays quick and the server alive, and nothing goes on when nobody is there to hear of it.
"""

from __future__ import annotations

import importlib
import os
import sys
import threading
from collections.abc import Callable
from multiprocessing import connection, parent_process
from pathlib import Path
from typing import Any

LEAST_MIB = 512
_MIB = 1024 * 1024
_POLITE = 5
_FIRST_TO_GO = "600"
_SELF = Path("/proc/self/oom_score_adj")


def memory_mib() -> int:
    """How much memory this machine has."""
    if sys.platform == "win32":
        return 8 * 1024
    return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") // _MIB


def allowed_mib() -> int:
    """How much a search may use unless somebody says otherwise: three quarters of it."""
    return max(LEAST_MIB, memory_mib() * 3 // 4)


def stay_small(limit_mib: int) -> None:
    """Let this process ask for no more than so much memory, and step back behind the server."""
    if sys.platform == "win32":
        return
    import resource

    _, most = resource.getrlimit(resource.RLIMIT_AS)
    wanted = limit_mib * _MIB if most == resource.RLIM_INFINITY else min(limit_mib * _MIB, most)
    resource.setrlimit(resource.RLIMIT_AS, (wanted, most))
    os.nice(_POLITE)
    if _SELF.exists():
        # When the whole machine runs short, the system should end the search rather than the server.
        _SELF.write_text(_FIRST_TO_GO)


def end_with_parent() -> None:
    """End this process with the one that started it, whatever it is doing then."""
    # A server killed outright cannot stop us; its end of this sentinel closes all the same.
    parent = parent_process()
    if parent is None:
        return

    def watch() -> None:
        connection.wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=watch, daemon=True, name="watch-parent").start()


def load(name: str) -> Callable[..., Any]:
    """The function that ``package.module:function`` names."""
    module, _, function = name.partition(":")
    found: Callable[..., Any] = getattr(importlib.import_module(module), function)
    return found
