"""Pure functions of numbers, arrays, rows and series: no files, clock, database or tract."""
