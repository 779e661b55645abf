// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What every test program shares: run one suite with Check and turn its verdict into an exit code.
#ifndef GW_HARNESS_H
#define GW_HARNESS_H

#include <check.h>
#include <stdlib.h>

// Relative comparison whose failure message shows both numbers.
#define ck_close(got, want, relative)                                                              \
    do {                                                                                           \
        const double got_ = (got);                                                                 \
        const double want_ = (want);                                                               \
        ck_assert_msg(got_ - want_ <= (relative) * (want_ < 0 ? -want_ : want_) &&                 \
                          want_ - got_ <= (relative) * (want_ < 0 ? -want_ : want_),               \
                      "%s: got %.12g, want %.12g within %g relative", #got, got_, want_,           \
                      (double)(relative));                                                         \
    } while (0)

static inline int harness_run(Suite *suite)
{
    SRunner *const runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    const int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#endif
