"""The FastAPI application over the hobnote library. It holds no rules of its own."""
