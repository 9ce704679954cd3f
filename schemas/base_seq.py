"""What a bike and a job say a change builds on."""

BASE_SEQ = {"description": "the seq this change builds on; null where it is a new one"}
