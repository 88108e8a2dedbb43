"""Pure functions of numbers and arrays, given rows and series: no files, clock, database or tract."""
