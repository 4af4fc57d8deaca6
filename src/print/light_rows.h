// Parts of light's table that its sections share.
#pragma once

#include "json_parts.h"

#include "tymbal/task/light.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// A row of figures: what it is, what it is worth.
void light_row(std::ostream& out, const std::string& what, const std::string& value);

/// "12.34 %"
[[nodiscard]] std::string share_text(double share);

/// "x" | "y"
[[nodiscard]] std::string name_of(LightField field);
/// "TE" | "TM"
[[nodiscard]] std::string name_of(Guided guided);

[[nodiscard]] Json polarisations_json(const std::vector<PolarisedResponse>& both);

}  // namespace tymbal
