"""Commands that look after what is kept. What they need is loaded when they run."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from service.trust.command import certificate

FolderOption = Annotated[
    Path | None, typer.Option("--data", help="The data folder; the usual place for this user if not given.")
]


def add_commands(app: typer.Typer) -> None:
    """Add the commands of this side to ``lapful``."""
    app.command()(backup)
    app.command()(restore)
    app.command()(pair)
    app.command()(devices)
    app.command()(certificate)
    app.command()(doctor)
    app.command()(unit)
    app.command()(licences)
    app.command()(sbom)


def backup(
    data: FolderOption = None,
    out: Annotated[Path | None, typer.Option(help="The file to write; a new one beside the data.")] = None,
) -> None:
    """Write everything into one file, also while the server runs."""
    from service.care.copying import back_up

    print(f"Everything is in {back_up(_folder(data), out)}")


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A file that lapful backup wrote.")],
    data: FolderOption = None,
) -> None:
    """Put a backup in place of what is kept; a damaged file is refused. Stop the server first."""
    from service.store.putback import restore as put_back

    done = put_back(file, _folder(data))
    print(f"Put back: {done.household or 'an empty household'}. Devices must be paired again.")
    if done.kept:
        print(f"What was there before is kept in {done.kept}")


def pair(data: FolderOption = None) -> None:
    """Show a picture to scan, which lets one device of the home network in within five minutes."""
    import sys
    from contextlib import closing

    from service.care.devices import opened, server_of
    from service.doors.invitation import draw, link

    with closing(opened(_folder(data))) as store:
        serving = server_of(store.folder)
        address = link(store, serving.host, serving.port, serving.scheme)
    print(f"Scan this within five minutes, or open it on the device:\n{address}")
    draw(address, sys.stdout)


def devices(
    data: FolderOption = None,
    shut_out: Annotated[
        str | None, typer.Option(metavar="DEVICE", help="Never let this device in again.")
    ] = None,
) -> None:
    """List the devices that are let in, or shut one out."""
    from contextlib import closing

    from service.care.devices import device_lines, opened
    from service.store.devices import Devices

    with closing(opened(_folder(data))) as store:
        if shut_out:
            Devices(store).shut_out(shut_out)
        for line in device_lines(Devices(store).all()):
            print(line)


def doctor(
    data: FolderOption = None,
    port: Annotated[int, typer.Option(min=1, max=65535, help="The port that would be used.")] = 8027,
) -> None:
    """Look at versions, folder, disk, store, copies, port and address; say what to do about each."""
    from service.care.doctor import findings

    found = findings(_folder(data), port)
    for one in found:
        print(one.line)
    if any(not one.well for one in found):
        raise typer.Exit(1)


def unit(
    data: FolderOption = None,
    home_network: Annotated[
        bool, typer.Option("--home-network", help="Let paired devices of the home network in.")
    ] = False,
) -> None:
    """Print a systemd user unit that keeps Lapful running."""
    from service.care.unit import unit_text

    print(unit_text(data.absolute() if data else None, home_network), end="")


def licences() -> None:
    """List what Lapful is made with, and under which licences."""
    from service.care.licences import licence_lines

    for line in licence_lines():
        print(line)


def sbom() -> None:
    """Print what Lapful is made of as CycloneDX JSON, to be checked against lists of known flaws."""
    from service.care import sbom as parts

    print(parts.sbom())


def _folder(given: Path | None) -> Path:
    from service.store import default_folder

    return given or default_folder()
