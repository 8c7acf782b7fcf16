def two: . as $c | ($c|split("|")) as $p | $p[1] | if startswith("const") then ["const", (ltrimstr("const")|tonumber)] else ["none", 0] end;
(.quasi_static[] | ["quasi_static", (.case|split("|")[0]), 1, (if (.case|contains("|")) then (.case|two[]) else "none", 0 end), 0, 0, "", .t75, .t95, .I_LR, null, null]),
(.reduced_voltage | to_entries[] | .key as $m | .value[] | ["reduced_voltage", $m, .V, .load_spec[0], .load_spec[1], 0, 0, .outcome, null, .t95_qs, .I_LR_phasor, .final_speed, .t_end]),
(.source[] | ["source", (.case|split(" ")[0]), 1, .load[0], .load[1], .Rs, .Xs, "", null, .t95_qs, .I_LR_phasor, null, null])
| @csv
