#include "reading.h"

#include "values.h"

#include "tymbal/base/error.h"

#include <map>
#include <optional>

namespace tymbal::python {

namespace {

/// @throws InputError for a word that is none of those given
template <class Value>
Value word_of(const std::string& word, const char* option, const std::map<std::string, Value>& known) {
    const auto found = known.find(word);
    if (found != known.end()) return found->second;
    std::string accepted;
    for (const auto& one : known)
        if (!one.first.empty()) accepted.append(accepted.empty() ? "" : ", ").append(one.first);
    throw InputError({}, option, "is '" + word + "'; accepted: " + accepted);
}

/// What `read` makes of a file, told by the name that it goes by.
template <class Read>
auto named(const MeasuredFile& file, const Read& read) {
    try {
        return read(file.first);
    } catch (const InputError& e) {
        throw InputError({file.second, e.place().line}, e.key(), e.message());
    }
}

}  // namespace

ReadingChoice reading_from(const py::dict& words) {
    const auto text = [&](const char* name) {
        return words.contains(name) && !words[name].is_none() ? py::cast<std::string>(words[name]) : std::string();
    };
    ReadingChoice choice;
    if (const std::string kind = text("kind"); !kind.empty())
        choice.kind = word_of<MeasuredKind>(kind, "kind",
                                            {{"peaks", MeasuredKind::peaks},
                                             {"spectrum", MeasuredKind::spectrum},
                                             {"ringdown", MeasuredKind::ringdown}});
    choice.signal = word_of<SignalScale>(
        text("signal"), "signal",
        {{"", SignalScale::unsaid}, {"amplitude", SignalScale::amplitude}, {"power", SignalScale::power}});
    choice.width = word_of<WidthOf>(
        text("width"), "width", {{"", WidthOf::power}, {"amplitude", WidthOf::amplitude}, {"power", WidthOf::power}});
    if (const std::string decimal = text("decimal"); !decimal.empty())
        choice.decimal = word_of<char>(decimal, "decimal", {{"comma", ','}, {"point", '.'}});
    for (const auto& [name, into] :
         {std::pair{"resolution", &choice.resolution_hz}, std::pair{"frequency", &choice.frequency_hz}})
        if (words.contains(name) && !words[name].is_none())
            *into = positive_or_none(words[name], Kind::frequency, name);
    return choice;
}

Measured read_named(const MeasuredFile& file, const ReadingChoice& choice) {
    Measured measured = named(file, [&](const std::string& path) { return read_measured(path, choice); });
    measured.file = file.second;
    return measured;
}

std::vector<MeasuredDevice> read_devices(const MeasuredFile& file, const std::string& device,
                                         const ReadingChoice& choice) {
    if (!device.empty()) return {{device, read_named(file, choice)}};
    std::vector<MeasuredDevice> devices =
        named(file, [&](const std::string& path) { return read_measured_devices(path, choice); });
    for (MeasuredDevice& one : devices) one.measured.file = file.second;
    return devices;
}

}  // namespace tymbal::python
