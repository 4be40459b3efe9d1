"""What never changes once somebody relies on it: approved sheets and finished reports, written once
and read for ever."""
