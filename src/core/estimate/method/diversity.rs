//! Methods of diversity.

use crate::estimate::method::{Method, methods};

methods! {
    SHANNON {
        id: "diversity/shannon",
        title: "Shannon's index of diversity, natural logarithm",
        equation: "H = −Σ p ln p, p the share of a species among all living stems; limits H ± t √v, \
                   v = (n − 1)/n · Σ (H₋ᵢ − mean)² over the n plots, H₋ᵢ the index without the i-th, n − 1 degrees of freedom",
        assumptions: "Living stems, planted and self-sown, of the latest round, pooled over the plots without weights. The \
                      index is low where few stems were counted, so compare surveys of like size only",
        reference: "Shannon (1948), Bell System Technical Journal 27:379-423; Zahl (1977), Ecology 58:907-913; Heltshe & \
                    Forrester (1985), Ecology 66:107-111",
    }

    SIMPSON {
        id: "diversity/simpson",
        title: "Simpson's index of diversity",
        equation: "D = 1 − Σ p², p the share of a species among all living stems: how likely two stems drawn with return are \
                   of different species; limits as for Shannon's index",
        assumptions: "As for Shannon's index. Common species weigh most",
        reference: "Simpson (1949), Nature 163:688; Heltshe & Forrester (1985), Ecology 66:107-111",
    }

    EVENNESS {
        id: "diversity/evenness",
        title: "Evenness: how evenly stems are shared among species",
        equation: "J = H / ln S, H Shannon's index and S the number of species; limits as for Shannon's index",
        assumptions: "As for Shannon's index; 1 where every species has as many stems as the next",
        reference: "Pielou (1966), Journal of Theoretical Biology 13:131-144",
    }

    CHAO1 {
        id: "diversity/chao1",
        title: "How many species there are at the least, those that no plot holds included",
        equation: "S + f₁(f₁ − 1) / (2(f₂ + 1)), f₁ and f₂ the species met once and twice; limits S + T/K and S + T K, T the \
                   unseen species, K = exp(z √ln(1 + v/T²)), v by the delta method",
        assumptions: "The bias-corrected form. A lower bound: species that are rarer still stay out of it. Stems are taken to \
                      be drawn at random, which plots are not quite",
        reference: "Chao (1984), Scandinavian Journal of Statistics 11:265-270; Chao (1987), Biometrics 43:783-791; O'Hara \
                    (2005), Journal of Animal Ecology 74:375-386",
    }

    RAREFIED {
        id: "diversity/rarefied-by-plots",
        title: "Species expected in fewer of the plots",
        equation: "S − Σ C(N − L, n) / C(N, n), L the plots that hold a species, N all plots, n those drawn",
        assumptions: "Plots drawn at random from those surveyed. A curve that still climbs at its end says that more plots \
                      would find more species; surveys of different size are compared at the same number of plots",
        reference: "Colwell, Mao & Chang (2004), Ecology 85:2717-2727",
    }
}
