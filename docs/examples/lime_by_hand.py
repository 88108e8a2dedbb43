"""Lime for one plot, step by step, from Python: the same functions that the plan calls.

Run it with `python docs/examples/lime_by_hand.py`.
"""

from fencerow.science.soil import lime, lime_use, lime_value, materials

# a report with a Mehlich buffer reading, by North Carolina's equation
acidity = lime.mehlich_acidity(buffer_ph=6.2)
share = lime.share_to_lift(soil_ph=5.6, target_ph=6.2)
need = lime.mehlich_requirement(acidity, share, credit_ton_ac=0.0)

# the lime at hand is a little weaker than the lime that the report means
rate = lime_value.tons_for_aglime(need, reference_cce_pct=90, cce_pct=82)
now = lime_use.lime_now(rate, cap_ton_ac=2.0)

print(f"acidity       {acidity:.2f} meq/100 cm3")
print(f"share to lift {share:.2f}")
print(f"need          {need:.2f} tons/ac")
print(f"of this lime  {rate:.2f} tons/ac, {now:.2f} of it now")
print(f"on 1.4 ac     {materials.tons_for_area(now, 1.4):.2f} tons")
print(f"formula       {lime.mehlich_requirement.formula.text}")
