"""What every room stands on: ports, one reading a request, writing, clock, weeks, ids, dates in words."""
