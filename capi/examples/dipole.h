/*
 * A file of the format of scanlog.c whose TRP is known: a short dipole along z, theta polarisation only, EIRP at the equator
 * 10 dBm. Its power goes with the square of sin(theta), whose mean over the sphere is 2/3, so that the TRP is 10 + 10 log10(2/3)
 * dBm. Nothing is seen along z, and in the other polarisation: at most -150 dBm, which counts as half of it.
 */
#ifndef DIPOLE_H
#define DIPOLE_H

#include <math.h>
#include <stddef.h>
#include <stdio.h>

/* 10 + 10 log10(2/3) */
#define DIPOLE_TRP_DBM 8.239087409443188

enum { DIPOLE_SIZE = 1 << 15 };

/* Writes the text, ended by a zero byte, and gives its length without that. */
static size_t dipole(char text[DIPOLE_SIZE])
{
    size_t n = (size_t)snprintf(text, DIPOLE_SIZE, "SCANLOG 868.3\n");
    for (int i = 0; i <= 12; i++) {
        double sine = sin(i * 3.14159265358979323846 / 12);
        for (int j = 0; j < 24; j++) {
            n += (size_t)snprintf(text + n, DIPOLE_SIZE - n, "%d %d ", 15 * i, 15 * j);
            if (i == 0 || i == 12)
                n += (size_t)snprintf(text + n, DIPOLE_SIZE - n, "<-150 <-150\n");
            else
                n += (size_t)snprintf(text + n, DIPOLE_SIZE - n, "%.9f <-150\n", 10 + 20 * log10(sine));
        }
    }
    return n;
}

#endif
