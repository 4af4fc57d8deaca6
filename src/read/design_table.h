// A section of a design file: values by the key table's rules, with range checks.
#pragma once

#include "../text/toml_table.h"

#include "tymbal/base/sourced.h"
#include "tymbal/read/design_keys.h"

namespace tymbal {

/// Range in SI units that a value must lie in, ends included, and how to say it.
struct Range {
    double low = 0.0;
    double high = 0.0;
    const char* words = "";
};

namespace ranges {
inline constexpr Range thickness{1e-9, 1e-4, "1 nm to 0.1 mm"};
inline constexpr Range lateral{1e-7, 0.1, "0.1 um to 10 cm"};
inline constexpr Range stress{-1e10, 1.5e10, "-10 to 15 GPa"};
inline constexpr Range temperature{1e-3, 2000.0, "1 mK to 2000 K"};
inline constexpr Range way{1e-9, 0.01, "1 nm to 1 cm"};
inline constexpr Range speed{1e-16, 1e-3, "1e-5 nm/min to 1 mm/s"};
inline constexpr Range duration{1e-3, 3e6, "1 ms to 34 days"};
inline constexpr Range bias{-1e-5, 1e-5, "-10 to 10 um"};
inline constexpr Range light{1e-7, 2e-5, "100 nm to 20 um"};
inline constexpr Range watts{0.0, 100.0, "0 to 100 W"};
inline constexpr Range poisson{-0.99, 0.499, "between -1 and 0.5"};
inline constexpr Range index{1.0, 10.0, "1 to 10"};
inline constexpr Range positive{1e-300, 1e300, "above zero"};
inline constexpr Range not_negative{0.0, 1e300, "zero or more"};
inline constexpr Range any{-1e300, 1e300, "any finite value"};
}  // namespace ranges

class DesignSection {
public:
    /// Checks that every key is known and supported. @throws InputError
    DesignSection(TomlTable table, std::string section);

    [[nodiscard]] bool has(const std::string& key) const { return table_.has(key); }
    [[nodiscard]] const TomlTable& table() const { return table_; }
    [[nodiscard]] std::string text(const std::string& key) const { return table_.text(key); }
    /// A text that must be one of `accepted`.
    [[nodiscard]] std::string choice(const std::string& key, const std::vector<std::string>& accepted) const;

    /// A value that takes no uncertainty.
    template <class Q>
    [[nodiscard]] Q plain(const std::string& key, const Range& range) const {
        return Q::from_si(checked(key, range).value);
    }
    /// A value with the deviation that the design gives it, or none.
    template <class Q>
    [[nodiscard]] Sourced<Q> sourced(const std::string& key, const Range& range) const {
        const ParsedQuantity parsed = checked(key, range);
        return {Q::from_si(parsed.value), Q::from_si(parsed.deviation), source()};
    }
    template <class Q>
    [[nodiscard]] std::optional<Q> optional(const std::string& key, const Range& range) const {
        return has(key) ? std::optional<Q>(plain<Q>(key, range)) : std::nullopt;
    }
    [[nodiscard]] Point point(const std::string& key) const;
    [[nodiscard]] Source source() const { return {"the design file", Origin::design}; }

private:
    [[nodiscard]] ParsedQuantity checked(const std::string& key, const Range& range) const;

    TomlTable table_;
    std::string section_;
};

}  // namespace tymbal
