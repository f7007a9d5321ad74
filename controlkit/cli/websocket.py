"""The connection between a page and its kernel, without a wait before small messages."""

from __future__ import annotations

from asyncio import Future

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

__all__ = ["PromptConnection"]


class PromptConnection(ZMQChannelsWebsocketConnection):
    """
    A kernel's websocket that sends each message at once.

    Without this the operating system holds a small message back until the one before it has been acknowledged.
    Measured on one machine: a picture computed in 2 ms came to the page 28 ms later, and 8 ms later with this.
    """

    def connect(self) -> Future[None] | None:  # type: ignore[override]  # two of its bases differ here
        """Connect to the kernel, with TCP_NODELAY set on the page's socket."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
