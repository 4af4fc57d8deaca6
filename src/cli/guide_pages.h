// The pages of the guide, which the program carries inside.
#pragma once

#include <span>
#include <string_view>

namespace tymbal {

struct GuidePage {
    std::string_view name;  ///< "predict": that of its file in examples/guide
    std::string_view text;  ///< Markdown
};

/// In alphabetical order.
[[nodiscard]] std::span<const GuidePage> guide_pages();

}  // namespace tymbal
