// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "fluid/water.h"

#include <math.h>

// G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, eq. 16: air-free water at 1 atm, 0 to 150 °C.
static double density_kg_m3(double t)
{
    const double above =
        999.83952 +
        t * (16.945176 +
             t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12))));
    return above / (1.0 + 16.879850e-3 * t);
}

// IAPWS SR6-08(2011), from the Gibbs energy of eq. 1, cp = −T ∂²g/∂T² (eq. 5), at 0.1 MPa,
// 253.15 to 383.15 K. α = 10 K/(593 K − T), β = 10 K/(T − 232 K), τ = T/10 K.
static double specific_heat_j_kgk(double temp_k)
{
    static const double a[3] = {-1.661470539e5, 2.708781640e6, -1.557191544e8};
    static const double n[3] = {4.0, 5.0, 7.0};
    static const double b[4] = {-8.237426256e-1, 1.908956353, -2.017597384, 8.546361348e-1};
    static const double m[4] = {2.0, 3.0, 4.0, 5.0};
    const double c3 = -8.983025854;
    const double gas_constant_j_kgk = 461.51805;
    const double alpha = 10.0 / (593.0 - temp_k);
    const double beta = 10.0 / (temp_k - 232.0);
    double sum = 0.0;
    for (int i = 0; i < 3; ++i) {
        sum += n[i] * (n[i] + 1.0) * a[i] * pow(alpha, n[i] + 2.0);
    }
    for (int i = 0; i < 4; ++i) {
        sum += m[i] * (m[i] + 1.0) * b[i] * pow(beta, m[i] + 2.0);
    }
    return -gas_constant_j_kgk * (c3 + temp_k / 10.0 * sum);
}

// IAPWS SR6-08(2011) eq. 7; T̃ = T/300 K.
static double viscosity_pa_s(double t_ratio)
{
    return 1e-6 * (280.68 * pow(t_ratio, -1.9) + 511.45 * pow(t_ratio, -7.7) +
                   61.131 * pow(t_ratio, -19.6) + 0.45903 * pow(t_ratio, -40.0));
}

// IAPWS SR6-08(2011) eq. 8; T̃ = T/300 K.
static double conductivity_w_mk(double t_ratio)
{
    return 1.6630 * pow(t_ratio, -1.15) - 1.7781 * pow(t_ratio, -3.4) +
           1.1567 * pow(t_ratio, -6.0) - 0.432115 * pow(t_ratio, -7.6);
}

void gw_fluid_priv_water(double temp_degc, gw_fluid_props *out)
{
    const double temp_k = temp_degc + 273.15;
    *out = (gw_fluid_props){
        .density_kg_m3 = density_kg_m3(temp_degc),
        .specific_heat_j_kgk = specific_heat_j_kgk(temp_k),
        .conductivity_w_mk = conductivity_w_mk(temp_k / 300.0),
        .viscosity_pa_s = viscosity_pa_s(temp_k / 300.0),
    };
}
