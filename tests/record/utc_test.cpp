#include "tymbal/record/utc.h"

#include <doctest/doctest.h>

using tymbal::utc_text;

TEST_SUITE("unit") {
    TEST_CASE("moments of the record are UTC: offsets are moved, days stay days") {
        CHECK(utc_text(std::string("2026-03-14")) == "2026-03-14");
        CHECK(utc_text(std::string("2026-03-14T09:30Z")) == "2026-03-14T09:30:00Z");
        CHECK(utc_text(std::string("2026-03-14 09:30:15")) == "2026-03-14T09:30:15Z");
        CHECK(utc_text(std::string("2026-03-14T00:30:00+02:00")) == "2026-03-13T22:30:00Z");
        CHECK(utc_text(std::string("2025-12-31T23:00:00-05:30")) == "2026-01-01T04:30:00Z");
    }

    TEST_CASE("seconds since 1970 become the day that `date -u` gives") {
        CHECK(utc_text(0) == "1970-01-01T00:00:00Z");
        CHECK(utc_text(951782400) == "2000-02-29T00:00:00Z");   // date -u -d @951782400
        CHECK(utc_text(1773567015) == "2026-03-15T09:30:15Z");  // date -u -d @1773567015
        CHECK(utc_text(-1) == "1969-12-31T23:59:59Z");
    }

    TEST_CASE("what is no day or moment is refused") {
        for (const char* text : {"", "yesterday", "2026-02-30", "2026-13-01", "14.3.2026", "2026-03-14T25:00",
                                 "2026-03-14T09:61", "2026-03-14T09:30+99:00", "2026-03-14T09:30+02:99",
                                 "9999-12-31T23:00-02:00", "1900-01-01T01:00+02:00", "20260314"}) {
            CAPTURE(text);
            CHECK_FALSE(utc_text(std::string(text)));
        }
    }
}
