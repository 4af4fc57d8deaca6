#include "tymbal/mask/write_gdsii.h"

#include "../text/toml_table.h"

#include "tymbal/base/nearest.h"

#include <algorithm>

namespace tymbal {

namespace {

/// Layers and datatypes are signed 16-bit numbers in the file; readers of its early days know 0 to 63 and 0 to 255.
constexpr int most_layer = 32'767;

LayerNumber read_layer(const TomlTable& table, const std::string& key, const toml::value& value) {
    const auto fits = [](const toml::value& v) {
        return v.is_integer() && v.as_integer() >= 0 && v.as_integer() <= most_layer;
    };
    const bool pair =
        value.is_array() && value.as_array().size() == 2 && fits(value.as_array()[0]) && fits(value.as_array()[1]);
    if (!pair) table.refuse(key, "must be a layer and a datatype from 0 to 32767, such as [12, 0]");
    return {static_cast<int>(value.as_array()[0].as_integer()), static_cast<int>(value.as_array()[1].as_integer())};
}

}  // namespace

LayerNumbers read_layers(const std::string& path) {
    const toml::value root = parse_toml(read_text(path), path);
    const TomlTable table(path, "", root);
    LayerNumbers layers = usual_layers;
    const std::vector<std::string> known(layer_names.begin(), layer_names.end());
    for (const std::string& key : table.keys()) {
        const auto found = std::find(known.begin(), known.end(), key);
        if (found == known.end())
            table.refuse(key, "is no kind of figure; accepted: holes, openings, witnesses, marks, label, frame" +
                                  suggestion(key, known));
        layers[static_cast<std::size_t>(found - known.begin())] = read_layer(table, key, root.at(key));
    }
    return layers;
}

}  // namespace tymbal
