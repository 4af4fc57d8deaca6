// A section of a design file: values by the key table's rules, with range checks.
#pragma once

#include "toml_table.h"

#include "tymbal/base/sourced.h"
#include "tymbal/files/design_keys.h"

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
