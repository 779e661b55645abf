// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The few things done with days of the Gregorian calendar.
#include "money/program.h"

#include <stdio.h>

static int days_in_month(int year, int month)
{
    static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month == 2 && leap ? 29 : days[month - 1];
}

bool gw_date_known(gw_date date)
{
    return date.year != 0;
}

bool gw_date_valid(gw_date date)
{
    return date.year >= 1990 && date.year <= 2200 && date.month >= 1 && date.month <= 12 &&
           date.day >= 1 && date.day <= days_in_month(date.year, date.month);
}

int gw_date_compare(gw_date a, gw_date b)
{
    const int days = (a.year - b.year) * 372 + (a.month - b.month) * 31 + (a.day - b.day);
    return (days > 0) - (days < 0);
}

gw_date gw_date_add_months(gw_date date, int months)
{
    const int count = date.year * 12 + date.month - 1 + months;
    gw_date later = {count / 12, count % 12 + 1, date.day};
    const int last = days_in_month(later.year, later.month);
    if (later.day > last) {
        later.day = last;
    }
    return later;
}

const char *gw_date_print(gw_date date, char *buffer, size_t size)
{
    if (gw_date_known(date)) {
        (void)snprintf(buffer, size, "%04d-%02d-%02d", date.year, date.month, date.day);
    } else {
        (void)snprintf(buffer, size, "not known");
    }
    return buffer;
}
