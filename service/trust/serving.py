"""One server, two doors: plain http for this machine, https for the home network."""

from __future__ import annotations

import asyncio
import socket
import ssl
from collections.abc import Callable

import uvicorn

RENEW_EVERY_S = 12 * 3600.0
Renew = Callable[[], None]


class BothDoors(uvicorn.Server):
    """Serves the listeners it is given in plain http, and one more in https."""

    def __init__(
        self, config: uvicorn.Config, secure: socket.socket, context: ssl.SSLContext, renew: Renew
    ) -> None:
        super().__init__(config)
        self._secure, self._context, self._renew = secure, context, renew

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Open both."""
        await super().startup(sockets)
        loop = asyncio.get_running_loop()
        server = await loop.create_server(
            self._protocol, sock=self._secure, ssl=self._context, backlog=self.config.backlog
        )
        self.servers.append(server)
        loop.call_later(RENEW_EVERY_S, self._look_again)

    def _protocol(self) -> asyncio.Protocol:
        kind = self.config.http_protocol_class
        return kind(  # type: ignore[call-arg]
            config=self.config, server_state=self.server_state, app_state=self.lifespan.state
        )

    def _look_again(self) -> None:
        """A server that runs for months gets a new certificate meanwhile; new connections take it."""
        self._renew()
        asyncio.get_running_loop().call_later(RENEW_EVERY_S, self._look_again)
