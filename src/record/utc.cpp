#include "tymbal/record/utc.h"

#include <chrono>
#include <cstdio>
#include <regex>

namespace tymbal {

namespace {

using std::chrono::days;
using std::chrono::sys_days;
using std::chrono::year_month_day;

std::string day_text(const year_month_day& day) {
    char text[40];
    std::snprintf(text, sizeof text, "%04d-%02u-%02u", int(day.year()), unsigned(day.month()), unsigned(day.day()));
    return text;
}

int whole(const std::ssub_match& digits) {
    return digits.matched ? std::stoi(digits.str()) : 0;
}

}  // namespace

std::string utc_text(std::int64_t seconds) {
    const std::int64_t day = seconds >= 0 ? seconds / 86400 : (seconds - 86399) / 86400;
    const int rest = static_cast<int>(seconds - 86400 * day);
    char clock[40];
    std::snprintf(clock, sizeof clock, "T%02d:%02d:%02dZ", rest / 3600, rest / 60 % 60, rest % 60);
    return day_text(year_month_day{sys_days{days{day}}}) + clock;
}

std::optional<std::string> utc_text(const std::string& text) {
    if (text.size() > 40) return std::nullopt;
    static const std::regex form(
        R"((\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d)(?:\.\d+)?)?\s?(?:Z|UTC|([+-])(\d\d):?(\d\d))?)?)");
    std::smatch part;
    if (!std::regex_match(text, part, form)) return std::nullopt;
    const year_month_day day{std::chrono::year{whole(part[1])}, std::chrono::month{unsigned(whole(part[2]))},
                             std::chrono::day{unsigned(whole(part[3]))}};
    if (!day.ok() || whole(part[1]) < 1900) return std::nullopt;
    if (!part[4].matched) return day_text(day);
    const int hour = whole(part[4]), minute = whole(part[5]), second = whole(part[6]);
    const int offset = 60 * whole(part[8]) + whole(part[9]);
    if (hour > 23 || minute > 59 || second > 59 || whole(part[9]) > 59 || offset > 14 * 60) return std::nullopt;
    const std::int64_t local = 86400LL * sys_days{day}.time_since_epoch().count() + 3600 * hour + 60 * minute + second;
    const std::string moved = utc_text(part[7].str() == "-" ? local + 60 * offset : local - 60 * offset);
    const bool in_form = moved.size() == std::string("2026-03-14T09:30:00Z").size() && moved >= "1900";
    return in_form ? std::optional(moved) : std::nullopt;
}

}  // namespace tymbal
