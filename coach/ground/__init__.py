"""What every room stands on: ports, the one reading of a request, writing, clock, weeks, ids."""
