"""The contract: one file a noun. What is written here is what /openapi.json says and what the service accepts."""
