"""All SQL of the service, one file a noun. Functions take an open transaction and the shop; they hold no business
logic and import neither routes nor schemas."""

from .connection import Store
from .errors import StoreBusy, StoreError, StoreFault
from .migrations import migrate, pending

__all__ = ["Store", "StoreBusy", "StoreError", "StoreFault", "migrate", "pending"]
