#include "read_free.h"

#include "tymbal/read/design_keys.h"

namespace tymbal {

namespace {

FreeKey read_names(const TomlTable& table, const std::string& key) {
    FreeKey free{key, 0.0, 0.0, table.texts(key)};
    if (free.names.size() < 2) table.refuse(key, "needs at least two names to choose from");
    return free;
}

FreeKey read_range(const TomlTable& table, const std::string& key, Kind kind) {
    const std::vector<double> range = table.quantities(key, kind, 2);
    if (!(range[0] < range[1])) table.refuse(key, "must rise: [low, high]");
    return {key, range[0], range[1], {}};
}

const DesignKey& known_key(const TomlTable& table, const std::string& key) {
    try {
        return changeable_key(key);
    } catch (const InputError& e) {
        throw InputError(table.place(key), "free", e.what());
    }
}

}  // namespace

std::vector<FreeKey> read_free(const TomlTable& table) {
    std::vector<FreeKey> all;
    for (const std::string& key : table.keys()) {
        const DesignKey& known = known_key(table, key);
        const bool solver = std::string(known.section) == "solve" || std::string(known.section) == "target";
        if (solver) table.refuse(key, "is no property of the device; name what may be built differently");
        all.push_back(known.kind ? read_range(table, key, *known.kind) : read_names(table, key));
    }
    return all;
}

}  // namespace tymbal
