//! What `build.rs` found in `report-templates/` and `fonts/`: path there, content.

include!(concat!(env!("OUT_DIR"), "/embedded.rs"));
