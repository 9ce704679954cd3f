"""What can go wrong in the store, in our own words."""


class StoreError(Exception):
    """A fault of the store; the transaction was rolled back."""


class StoreBusy(StoreError):
    """The database is locked by someone else; worth trying again soon."""


class StoreFault(StoreError):
    """The database refused or failed: disk full, file damaged, a constraint broken by our own fault."""
