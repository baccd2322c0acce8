[version] 2.0
# MHz Y RI
[number of ports] 2
[two-port data order] 21_12
[number of frequencies] 1
[reference] 50
[matrix format] UPPER
[network data]
868.3 0.02 0.001 -0.015 0.002 0.03 -0.004
[end]
