[Version] 2.1
# MHz S DB R 50
[Number of Ports] 4
[Number of Frequencies] 1
[Network Data]
868.3 -20 0 -3 90 -30 10 -40 20
 -3 90 -21 1 -31 11 -41 21
 -30 10 -31 11 -22 2 -6 -90
 -40 20 -41 21 -6 -90 -23 3
