### The audit of a service. Each message: where it stands, and how many letters it may have.

# Title · 50
audit-title = How this service measures
