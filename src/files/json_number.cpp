#include "json_number.h"

#include "tymbal/files/version.h"

#include <cmath>

namespace tymbal {

Json number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json number(const std::optional<double>& value) {
    return value ? number(*value) : Json(nullptr);
}

Json json_head(const std::string& title, const std::string& sha256) {
    Json root;
    root["tool"] = {{"name", "tymbal"}, {"version", version}};
    root["design"] = {{"title", title}, {"sha256", sha256}};
    return root;
}

Json changes_json(const Changes& changes) {
    Json all = Json::object();
    for (const Change& change : changes) {
        const double* si = std::get_if<double>(&change.value);
        all[change.key] = si != nullptr ? number(*si) : Json(std::get<std::string>(change.value));
    }
    return all;
}

void print(std::ostream& out, const Json& root) {
    // A title may hold bytes that are not UTF-8; they are replaced, not fatal.
    out << root.dump(2, ' ', false, Json::error_handler_t::replace) << '\n';
}

}  // namespace tymbal
