"""Weather: daily and hourly series, reference evapotranspiration, freeze dates, degree days."""
