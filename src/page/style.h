// Style and script of every page that the library writes.
#pragma once

#include <string_view>

namespace tymbal {

extern const std::string_view report_css, report_js;

}  // namespace tymbal
