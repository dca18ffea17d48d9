//! Carbon in living wood, above the ground and below it: from measured stems to the stock of a site with its error.
//!
//! Stems become trees, trees dry mass by the published equation of their group, masses plots, plots areas and the site. Carbon of
//! soil, litter, dead wood and grass is not in it.

pub(super) mod biomass;
mod equation;
mod group;
mod growth;
mod plot_mass;
mod projection;
mod propagation;
pub(super) mod published;
pub(super) mod roots;
mod stand;
mod stock;
mod tree;
pub(super) mod uncertainty;
mod wood;
mod words;

pub use biomass::{Bare, Biomass, biomass};
pub use equation::{Equation, Shape, Size, log_correction};
pub use group::{Choice, Group, group};
pub use growth::{Growth, most_of_site};
pub use plot_mass::{PlotMass, Taken};
pub use projection::{Age, age, projection};
pub use propagation::{of_product, of_sum, taken_off};
pub use published::{NAMED, named};
pub use roots::{RATIOS, RatioClass, cairns, mokany, ratio_of_zone, roots};
pub use stand::Stand;
pub use stock::{CAUTIONS, Stocks, gain, stock, stocks};
pub use tree::{Tree, equivalent_diameter, trees};
pub use uncertainty::{Joint, Parts};
pub use wood::{Level, Wood, wood};
