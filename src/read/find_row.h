// A row of the material table by the name that a design gives.
#pragma once

#include "design_table.h"

#include "tymbal/base/nearest.h"

#include <map>
#include <string>
#include <vector>

namespace tymbal {

template <class Row>
std::vector<std::string> row_names(const std::map<std::string, Row>& rows) {
    std::vector<std::string> names;
    names.reserve(rows.size());
    for (const auto& entry : rows) names.push_back(entry.first);
    return names;
}

/// @throws InputError that names the nearest row
template <class Row>
const Row& find_row(const DesignSection& s, const std::string& key, const std::map<std::string, Row>& rows) {
    const std::string name = s.text(key);
    const auto found = rows.find(name);
    if (found == rows.end())
        s.table().refuse(key, "is '" + name + "', no row of the material table" + suggestion(name, row_names(rows)) +
                                  "; `tymbal materials` lists them");
    return found->second;
}

}  // namespace tymbal
