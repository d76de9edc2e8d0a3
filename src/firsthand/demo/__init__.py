"""The demo costume: the Tide Warden."""
