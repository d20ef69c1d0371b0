"""A unit file for systemd's user instance (systemd.service(5), systemd.exec(5))."""

from __future__ import annotations

import sys
from pathlib import Path

_TEXT = """\
# Keep this as ~/.config/systemd/user/lapful.service, then run:
#   systemctl --user daemon-reload
#   systemctl --user enable --now lapful
#   loginctl enable-linger    (so that it runs while nobody is logged in)
[Unit]
Description=Lapful, the family's week

[Service]
ExecStart={command}
Restart=on-failure
RestartSec=5
TimeoutStopSec=15
UMask=0077
NoNewPrivileges=yes
LockPersonality=yes
RestrictSUIDSGID=yes
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX

[Install]
WantedBy=default.target
"""


def unit_text(folder: Path | None, home_network: bool) -> str:
    """The unit, with this installation's own Python."""
    script = Path(sys.executable).with_name("lapful")
    words = [str(script)] if script.exists() else [sys.executable, "-m", "service"]
    words.append("serve")
    if folder:
        words += ["--data", str(folder)]
    if home_network:
        words.append("--home-network")
    return _TEXT.format(command=" ".join(_quoted(word) for word in words))


def _quoted(word: str) -> str:
    """A word as systemd reads it: specifiers, variables and quotes stand for themselves."""
    plain = word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{plain}"' if any(sign in word for sign in " \t\"'\\;") else plain
