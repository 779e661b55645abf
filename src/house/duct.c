// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "house/duct.h"

#include <math.h>

// Share of the temperature difference left at the end of a duct: B = exp(-A/(C R)).
static double conduction(double area_m2, double insulation_m2k_w, double flow_w_k)
{
    return exp(-area_m2 / (flow_w_k * insulation_m2k_w));
}

// The room gets a_s C (T_supply - T_i), with T_supply after return duct, unit and supply duct:
//   load = a_s B_s E - a_s C D (1 - a_r B_r B_s),   D = T_i - T_around,
// the numerator of the standard's delivery effectiveness with one temperature around both ducts.
double gw_duct_extra_w(const gw_house_ducts *ducts, double air_j_m3k, const gw_duct_run *run)
{
    if (!(ducts->air_flow_m3_s > 0.0) || run->load_w == 0.0) {
        return 0.0;
    }
    const double flow_w_k = air_j_m3k * ducts->air_flow_m3_s;
    const double b_s = conduction(ducts->supply_area_m2, ducts->insulation_m2k_w, flow_w_k);
    const double b_r = conduction(ducts->return_area_m2, ducts->insulation_m2k_w, flow_w_k);
    const double a_s = 1.0 - ducts->supply_leak_frac;
    const double a_r = 1.0 - ducts->return_leak_frac;
    const double difference_k = ducts->outdoor_share * (run->indoor_degc - run->outdoor_degc);
    const double lost_w = run->run_frac * a_s * flow_w_k * difference_k * (1.0 - a_r * b_r * b_s);
    const double unit_w = (run->load_w + lost_w) / (a_s * b_s);
    return (run->load_w > 0.0 ? fmax(unit_w, 0.0) : fmin(unit_w, 0.0)) - run->load_w;
}

double gw_duct_delivery_frac(const gw_house_ducts *ducts, double air_j_m3k, const gw_duct_run *run)
{
    const double unit_w = run->load_w + gw_duct_extra_w(ducts, air_j_m3k, run);
    return unit_w != 0.0 ? run->load_w / unit_w : 1.0;
}
