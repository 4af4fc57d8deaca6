// A value together with its one-sigma uncertainty and where it comes from; without a source it cannot be built.
#pragma once

#include "tymbal/base/quantity.h"

#include <string>

namespace tymbal {

/// How a value was obtained; decides how far to trust it.
enum class Origin {
    design,    ///< written in the user's design file
    table,     ///< read in a publication, data record or open table
    abstract,  ///< read in a publication's abstract only
    derived,   ///< follows from other values by a formula
    memory,    ///< recalled by the authors, not checked against a publication
    fallback,  ///< default of this program because the design says nothing
};

[[nodiscard]] std::string to_string(Origin origin);

struct Source {
    std::string citation;
    Origin origin = Origin::memory;
};

/// A measured, tabulated or designed value of type Q with one standard deviation.
template <class Q>
class Sourced {
public:
    /// @throws std::invalid_argument when the citation is empty or the deviation is negative or not finite
    Sourced(Q value, Q deviation, Source source);

    [[nodiscard]] Q value() const { return value_; }
    [[nodiscard]] Q deviation() const { return deviation_; }
    [[nodiscard]] double si() const { return value_.si(); }
    [[nodiscard]] double deviation_si() const { return deviation_.si(); }
    [[nodiscard]] const Source& source() const { return source_; }

private:
    Q value_;
    Q deviation_;
    Source source_;
};

/// Throws std::invalid_argument for an empty citation or a deviation that is negative or not finite.
void check_sourced(double value_si, double deviation_si, const Source& source);

template <class Q>
Sourced<Q>::Sourced(Q value, Q deviation, Source source)
    : value_(value), deviation_(deviation), source_(std::move(source)) {
    check_sourced(value_.si(), deviation_.si(), source_);
}

}  // namespace tymbal
