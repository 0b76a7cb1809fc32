"""A local page in the browser: an ASGI application of small server-made pages. It holds no rule of the trade."""
