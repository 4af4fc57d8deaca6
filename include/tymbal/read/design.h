// A design as it is written: keys and values. What the clean room makes of it is a Device.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/base/parse_quantity.h"
#include "tymbal/task/variation.h"

#include <cstddef>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>

namespace tymbal {

/// What the user allows and a design cannot: design files come from strangers.
struct ReadLimits {
    std::size_t most_holes = 200'000;  ///< round which fronts are drawn, a few seconds of work; at most a million
    std::string hole_file;             ///< read instead of the one that holes.file names, wherever it lies
};

struct WrittenDesign;

/// A plain value: copies are cheap and independent. Nothing is checked until a device is made of it, so a design may
/// be put together in any order; design_keys() lists the keys:
///     Design{}.with({{"film.material", "nitride-stoichiometric"}, {"film.thickness", 100_nm},
///                    {"film.stress", {1.0_GPa, 0.05_GPa}}, {"outline.shape", "disc"}, {"outline.diameter", 200_um}})
class Design {
public:
    Design();  ///< without any key

    /// This design with some keys changed; a key that it does not have is added. A number in the place of another
    /// keeps the deviation that the design gives it, unless it brings its own.
    /// @throws InputError for a key that no design has, a quantity of another kind, or a value where a list stands
    [[nodiscard]] Design with(const Changes& changes) const;
    /// This design without a key, or without a whole section ("readout"). A key that is not there may be named.
    /// @throws InputError for a key that no design has
    [[nodiscard]] Design without(const std::string& key) const;

    /// Whether the key or section is written, defaults do not count.
    [[nodiscard]] bool has(const std::string& key) const;
    /// The number of a key, SI, with its deviation; nothing where the key is not written or holds no single number.
    /// @throws InputError for a key that no design has
    [[nodiscard]] std::optional<ParsedQuantity> number(const std::string& key) const;
    /// The text of a key as it is written; nothing where it is not written or holds no text.
    /// @throws InputError for a key that no design has
    [[nodiscard]] std::optional<std::string> text(const std::string& key) const;

    [[nodiscard]] const std::string& file() const;    ///< empty: put together in code
    [[nodiscard]] const std::string& sha256() const;  ///< of the file's bytes, hex; empty: put together in code

    /// Same keys, each with the same value as it is written; where they come from does not count.
    friend bool operator==(const Design& a, const Design& b);

    explicit Design(std::shared_ptr<const WrittenDesign> written) : written_(std::move(written)) {}
    [[nodiscard]] const WrittenDesign& written() const { return *written_; }  ///< for the reader

private:
    std::shared_ptr<const WrittenDesign> written_;  // never null, shared by copies
};

/// @throws InputError when the file cannot be read or is no TOML; what its keys say is checked by check and as_released
[[nodiscard]] Design read_design(const std::string& path);

/// The same from text; `path` is only named in messages.
[[nodiscard]] Design parse_design(const std::string& text, const std::string& path);

/// The design as a file would have it, without comments: read back it has the same values, bit for bit.
[[nodiscard]] std::string toml_text(const Design& design);

/// What hangs free after lithography, etch and release: holes widened, film thinned, outline set free.
/// @throws InputError naming file, line and key for anything out of range or impossible
[[nodiscard]] Device as_released(const Design& design, const Materials& materials, const ReadLimits& limits = {});

/// The files that a device was read from, each once however it is spelled, in its role: design | holes.
[[nodiscard]] std::map<std::string, std::string> files_of(const Device& device);

/// The files that a design names, itself among them, whether they are there or not: design | holes.
[[nodiscard]] std::map<std::string, std::string> files_of(const Design& design);

/// Nothing for a sound design. @throws InputError like as_released
void check(const Design& design, const Materials& materials, const ReadLimits& limits = {});

/// The design as a function of changes, for what moves through designs. `materials` must outlive the result.
[[nodiscard]] DeviceAt devices_of(const Design& design, const Materials& materials, const ReadLimits& limits = {});

}  // namespace tymbal
