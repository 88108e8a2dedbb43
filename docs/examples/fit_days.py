"""How long bare ground takes to be fit for tillage after rain, by texture and by the day's drying.

Run it with `python docs/examples/fit_days.py`.
"""

from fencerow.data import Tables
from fencerow.science.weather import texture, workability
from fencerow.science.weather.layer import layer_of

print("whole days from soaked to fit, at 2, 4 and 6 mm of drying a day")
for row in Tables.shipped()["soil_textures"]:
    sand, clay, om = row.number("sand_pct"), row.number("clay_pct"), row.number("om_pct")
    layer = layer_of(sand, clay, om, to_fc_h=48)
    by_weight = workability.wettest_tillage(om, clay)
    by_volume = workability.by_volume(by_weight, texture.bulk_density(layer.sat_share))
    limit = workability.tillage_limit(by_volume, layer.fc_share)
    wanted = workability.dryness_wanted(layer.fc_share, limit, layer.depth_mm, 0)
    days = [
        workability.days_to_fit(
            -layer.room_mm, wanted, eto, layer.rew_mm, layer.tew_mm, layer.room_mm, layer.drain_h
        )
        for eto in (2, 4, 6)
    ]
    print(f"{row.text('texture'):<16}", *(f"{d:3.0f}" for d in days))
